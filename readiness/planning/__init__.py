"""Search and simulation over the forecast; what they find is judged by the gates."""
