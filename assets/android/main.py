"""Where the app begins on Android. Copy the folders coach, procedures, locale and assets beside this file to build.

Not built here and not tried on a device.
"""

import sys

from coach.cli import main

sys.exit(main([]))
