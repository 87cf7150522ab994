"""Where commands start that were installed before `pegwright_command` stood by itself."""

from pegwright_command import main as main
