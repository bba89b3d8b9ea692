"""The project's own campaign: strangers' files, random jobs, damaged stores, asked until something is wrong."""
