/** What a search may hide, and that nothing hidden ever makes a wrong proof. */
@NullMarked
package stoplog.checker.abstraction;

import org.jspecify.annotations.NullMarked;
