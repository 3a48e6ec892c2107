"""What people touch: the command, the desk and the notebooks."""
