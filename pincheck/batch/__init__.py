"""Many submissions: taken in, checked apart from each other, remembered, reported."""
