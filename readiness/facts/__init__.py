"""Tables of the trade and of codes as data, with the source beside each value."""
