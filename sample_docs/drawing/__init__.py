"""How the sample papers are drawn: sheets in our own plain layouts, stamps, ageing, and packing as scans."""
