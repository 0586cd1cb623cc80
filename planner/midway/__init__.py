"""Midway through the knitting: will the yarn reach, when to change it, and what that means for the rest."""
