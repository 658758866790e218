"""Drawings set out on a sheet of so many units: inches become places, figures find room; templates only print."""
