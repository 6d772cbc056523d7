"""Measurements: what quietus does, how well and how fast, on this machine, beside a reference in the same run."""
