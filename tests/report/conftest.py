"""Makes the builder of synthetic sheets importable in this folder's tests."""

import sys
from pathlib import Path

sys.path.insert(0, str(Path(__file__).parent))
