"""`python -m hobwind` is the same as `hobwind`."""

from .cli import main

if __name__ == "__main__":
    main()
