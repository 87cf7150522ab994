"""A browser's requests in, pages out: `pegwright open`. The same door as the command line; starlette stays in here."""
