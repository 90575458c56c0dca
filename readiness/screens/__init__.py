"""The terminal screen: it shows answers and owns no rule."""
