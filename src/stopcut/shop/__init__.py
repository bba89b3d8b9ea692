"""The carver's own: woods, and thresholds from where on something is a finding; published defaults with sources."""
