"""The file itself: declared like the rest, and judged by the engine but for what a handover lacks."""
