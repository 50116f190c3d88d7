"""Drawings as geometry: plain values in, plain shapes out. Templates write the marks."""
