"""Work on files that may do harm, done in a child process with limits set by the operating system."""
