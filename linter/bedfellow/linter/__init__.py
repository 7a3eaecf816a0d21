"""What a person runs: engine, reports and the command line."""
