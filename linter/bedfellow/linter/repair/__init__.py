"""What would mend a plan, and what would be found if it were done."""
