"""A plan for the programs of surveyors, drawing offices and mapping departments."""
