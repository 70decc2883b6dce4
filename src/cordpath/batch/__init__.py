"""A batch of sheets: its order, its tasks, the workers that do them, and what is kept between runs."""
