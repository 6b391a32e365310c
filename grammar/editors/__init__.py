"""What editors and page makers need to show Bench: its colours, and how to set each of them up."""
