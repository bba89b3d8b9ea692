"""The job: what was asked for. Its document, its faults, the edits that change it.

A job's text is its truth. read_job and parse_job turn it into a Job with every default and inheritance resolved, or
raise WrongJob with every fault at once; edits.apply is the only way that anything changes a job.
"""
