"""Measuring scrap: household readings in, part values with honest uncertainty out."""
