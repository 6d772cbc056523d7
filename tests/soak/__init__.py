"""The long trial of the vault: kills at every point, bit flips in every file, every attack on the journal."""
