"""Forms: what people type, read into the values use cases take."""
