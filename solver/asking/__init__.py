"""Words (a flag's, a form's, a CSV row's) and a kit in, the Ask out: whole numbers only."""
