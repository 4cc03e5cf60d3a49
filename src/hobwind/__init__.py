"""hobwind: design, judge and prove small fans that stand on a wood stove and run on its heat alone."""

__version__ = "0.1.0"
