"""Answers by brute force for stashes that fit in the head, and random ones to try them on."""
