"""What is said of a plan: text for people, GNU lines, JSON, SARIF and a drawing."""
