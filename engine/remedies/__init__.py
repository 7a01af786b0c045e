"""The way out of a finding: edits that the tool can make, each tried before it is offered. Knows no window."""
