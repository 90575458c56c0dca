"""What was seen on site, folded to what holds at one moment."""
