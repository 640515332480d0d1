"""stovelint: heat review of build files for site-built masonry heaters."""

__version__ = "0.1.0"
