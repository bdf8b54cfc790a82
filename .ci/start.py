"""The one-folder build begins here."""

import sys

from coach.cli import main

sys.exit(main())
