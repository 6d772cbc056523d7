"""The proof of closure: what may go out, the document, and the folder that anyone can check.

`load_purposes` says what bundles can be for; `select` decides which papers go out and why the others stay;
`build_bundle` makes the one PDF and the BagIt folder or zip around it.
"""

from quietus.bundle.build import build_bundle
from quietus.bundle.purposes import Form, Purpose, Reach, Sent, load_purposes
from quietus.bundle.request import BundleMade, BundleRequest
from quietus.bundle.selection import Gap, Included, LeftOut, Selection, select
from quietus.bundle.signature import Seal

__all__ = [
    "BundleMade",
    "BundleRequest",
    "Form",
    "Gap",
    "Included",
    "LeftOut",
    "Purpose",
    "Reach",
    "Seal",
    "Selection",
    "Sent",
    "build_bundle",
    "load_purposes",
    "select",
]
