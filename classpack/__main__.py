"""``python -m classpack``."""

from __future__ import annotations

import sys

from classpack.cli import main

if __name__ == "__main__":
    sys.exit(main())
