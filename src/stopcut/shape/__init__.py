"""Plane geometry that every room shares: outlines of curves, their flattened rings, and where they are placed.

Lengths have no unit of their own here: an outline is in whatever its maker says (letters in em, ornaments in mm).
The y axis points up; outer rings run anticlockwise and holes clockwise, so that the wood to be cut lies on the left.
"""
