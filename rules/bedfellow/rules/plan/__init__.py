"""The file itself: judged by the engine, declared like the rest."""
