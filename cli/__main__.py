"""``python -m soapfilm.cli``: the command where its script is not on the path."""

import sys

from .main import main

sys.exit(main())
