"""stopcut: from the words somebody asked for to a board you can carve.

The house has one way in and one way through: a job goes in at the top, each room adds one kind of knowledge and
hands on plain values, and sheets come out at the end. ARCHITECTURE.md draws the plan.
"""

__all__ = ["__version__"]

__version__ = "0.1.0"
