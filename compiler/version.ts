/** Version of the compiler, as graphs name it; a test keeps it equal to that of the package. */
export const VERSION = "0.2.0"
