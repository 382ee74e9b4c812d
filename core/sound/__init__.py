"""The built-in piano: numbers in, samples out."""
