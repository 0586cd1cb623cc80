"""The plan: who suits what, the model, its checking, shortfall, and the commands."""
