"""Where every letter stands: optical spacing, lines, fit, the board.

Start with `set_out`. It asks `line` for one line's gaps (which come from `profile`, `spacing` and `wood_left`), `lay`
for its letters in a row or on an arc, `fitting` for heights that are not given and `stack` for the lines on the board.
`request` holds what is asked for, `set_board` what comes of it.
"""
