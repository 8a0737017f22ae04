"""One writer per invented clinic: how that clinic lays out, words and dates what happened."""
