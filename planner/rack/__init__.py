"""Judging a garment before it is bought: what it would give, and what that would unlock."""
