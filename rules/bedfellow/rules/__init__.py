"""What is judged and how: the border in space and time, and the families of checks."""
