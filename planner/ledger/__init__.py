"""What is set aside and what is used: the ledger, and what it leaves free."""
