/**
 * The command line: reads a plant, has its claims decided, and writes what came of it. The only place that knows both the language and the engine.
 *
 * <p>Whatever goes wrong, the exit status never says more than is known: 0 only if every claim asked
 * about was decided and stands as it should.
 */
@NullMarked
package stoplog.checker.cli;

import org.jspecify.annotations.NullMarked;
