"""One module, one question, one answer."""
