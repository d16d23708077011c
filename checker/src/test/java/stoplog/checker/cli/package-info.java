/** The command as a user meets it: what it prints, where, and its exit status. */
@NullMarked
package stoplog.checker.cli;

import org.jspecify.annotations.NullMarked;
