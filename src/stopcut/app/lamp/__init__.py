"""The lamp: the wood and the lit letters, drawn by the page from the real groove.

`tiles` makes what the page is sent: a tile a glyph and the bare wood. The page's part is lamp.js, a module that needs
no other library; it imports its neighbours by relative addresses, so serve the folder whole.
"""
