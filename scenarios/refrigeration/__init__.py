"""Fluid, air and the machines that move heat."""
