"""What it comes to: prices times quantities, tax, contingency, phases and the budget. Exact."""
