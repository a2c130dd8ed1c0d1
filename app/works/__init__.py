"""From the plan to the first training: tasks, a programme round real lives, money by month."""
