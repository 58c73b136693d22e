"""``python -m riglog`` is ``riglog``."""

import sys

from riglog.cli import main

sys.exit(main())
