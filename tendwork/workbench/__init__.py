"""What ties folder, almanac, planner and services together behind every front. `bench.Workbench` is the way in."""
