"""`python -m kiosk` is `throughlight`."""

import sys

from kiosk.cli import main

sys.exit(main())
