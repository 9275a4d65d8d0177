"""``python -m allocator`` is the command ``allocator``."""

from allocator.cli import main

if __name__ == "__main__":
    main()
