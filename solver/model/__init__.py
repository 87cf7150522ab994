"""What the solver reasons about: the Ask, the Setup with every quantity a rule may mention, rules as gaps, costs."""
