"""readiness: when a site can be sprayed, what exactly holds it up, and who clears that by when."""

__version__ = "0.1.0"
