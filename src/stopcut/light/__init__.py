"""Light in the grooves: rasters of the carved surface, shade, and the board as it looks when it is carved.

Start with `carved`, which lights a board. The grooves' faces become one planar map in `wall_map`; `raster` says which
wall each pixel sees, `rays` what stands between a wall and the light, `shade` how much light there is; `sampled` and
`cells` say where to ask. `wood` is the colour that the light meets and `colour` what a screen understands.
"""
