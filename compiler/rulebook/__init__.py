"""Every rule's declaration, a module a family: what it means, why it matters, what to do, and an example that shows it.

These modules are tables. The checks that raise the rules stand in `checks/` and, where reading or working out finds
them, beside that work.
"""
