"""The board on the page: an element that draws a board's view, lets hands push letters on it, and tells what they did.

`board.Board` is the Python side; `page/` holds the browser's, plain modules that need no library; element.js joins the
two. What the view holds, `app.board_view` says.
"""
