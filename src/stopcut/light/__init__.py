"""Light in the grooves: rasters of the carved surface, shade, and the board as it looks when it is carved.

Start with `carved`, which lights a board. It asks `walls` for the grooves' faces as one planar map, `raster` for which
wall each pixel sees, `shade` for the light there (by `rays` that run over the map), and `wood` for what colour that
meets; `colour` turns light into what a screen understands.
"""
