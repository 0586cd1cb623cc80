"""How answers look: tables and words for a terminal, documents for other programs."""
