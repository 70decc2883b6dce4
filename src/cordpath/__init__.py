"""cordpath: batch GFCI review of vector PDF house plans."""

__version__ = "0.1.0"
