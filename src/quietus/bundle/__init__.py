"""The proof of closure: what may go out, the document, and the folder that anyone can check.

`purposes` says what bundles can be for; `selection` decides which papers go out and why the others stay; `build` makes
the one PDF and the BagIt folder or zip around it.

Nothing is imported here, so that a child process loads what its task needs and no more.
"""
