"""Values to the bytes of files for other programs, and back."""
