"""Measuring scans: invented closing papers in many layouts, worn in many ways, with the truth beside each.

`python -m tests.corpus --into FOLDER --count 400 --seed 7 --split held` draws them. Layouts and stamp designs belong to
one of two splits that share nothing: what was used to tune the reader never measures it. Everything is invented.
"""

import sys
from pathlib import Path

_DRAWING = str(Path(__file__).resolve().parents[2] / "sample_docs")
if _DRAWING not in sys.path:  # the sheets, signatures and ageing of the sample scans are drawn by the same tools
    sys.path.append(_DRAWING)
