"""One module per command: words to a question, answer to stdout, exit code."""
