"""What researchers get: answers to questions of their own, extracts, the codebook. It sees public.* and no more."""
