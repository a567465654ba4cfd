"""Turn a folder of finished tattoo pieces into an archive, a portfolio and printable sheets."""

__version__ = "0.1.0"
