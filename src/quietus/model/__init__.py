"""What things are. Standard library only: no files and no clock (today is an argument)."""
