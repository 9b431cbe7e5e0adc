"""Throughlight: the packaging bench's tool for looking inside lumened instruments."""

__version__ = "0.1.0"
