"""What may mend a finding, a module a kind of change; whether a change does mend it is for `mending` to try."""
