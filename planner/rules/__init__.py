"""The model's rules, one file for each family, one function for each rule."""
