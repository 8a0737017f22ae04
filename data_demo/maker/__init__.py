"""Makes the invented demo workspace: an invented island, its rescues, and five clinics' exports of them."""
