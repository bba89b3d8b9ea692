"""Reading files that strangers made, each in a process of its own that may die.

A font or a drawing is a program for its reader, and a broken or hostile one can make that reader crash, hang or eat
all memory. So nothing here opens such a file in the tool's own process: `child` starts a worker and talks with it in
lines of JSON under limits of time, memory and size; `inside` is the worker's half of that; the other modules are
pairs of a reader (in the tool) and a worker (in the child).
"""
